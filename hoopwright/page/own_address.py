"""Under which addresses another machine reaches a page that is served on a network."""

from __future__ import annotations

import ipaddress
import socket
from contextlib import suppress

NOBODY = {socket.AF_INET: "192.0.2.1", socket.AF_INET6: "2001:db8::1"}
"""Addresses that are for examples alone (RFC 5737 and RFC 3849), by kind."""


def hosts(asked: str, listening: socket.socket) -> list[str]:
    """Numeric address and name of this machine, as far as there are any, for a socket that listens where it
    was asked to. The numbers come first: a phone often cannot resolve the name of a machine in the shop."""
    bound = ipaddress.ip_address(listening.getsockname()[0])
    if not bound.is_unspecified:
        return list(dict.fromkeys((str(bound), asked)))
    return [*_on_network(listening), socket.gethostname()]


def reaches(host: str) -> bool:
    """Whether another machine can open an address in numbers. One of a single link needs the link named
    too, which no browser takes."""
    with suppress(ValueError):
        ip = ipaddress.ip_address(host)
        return not (ip.is_loopback or ip.is_unspecified or (ip.version == 6 and ip.is_link_local))
    return False


def _on_network(listening: socket.socket) -> list[str]:
    """The address of this machine on its network, where it has one."""
    families = [listening.family]
    if listening.family == socket.AF_INET6 and not listening.getsockopt(
        socket.IPPROTO_IPV6, socket.IPV6_V6ONLY
    ):
        families.insert(0, socket.AF_INET)  # the shorter one, which every network has
    return [found for family in families if reaches(found := _towards_nobody(family))][:1]


def _towards_nobody(family: int) -> str:
    """The address that this machine would send from; "" where it has no way out. Connecting a datagram
    socket only looks up the way: nothing is sent, and nobody is asked."""
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as towards:
            towards.connect((NOBODY[socket.AddressFamily(family)], 9))
            return str(towards.getsockname()[0])
    except OSError:
        return ""
