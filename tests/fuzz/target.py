"""One fuzzing process: python tests/fuzz/target.py (case|log) FOLDER [options of the fuzzing engine].

Half the inputs come from byte mutations of the engine, half from mutations of lines and values, which
leave a file valid enough to get past the TOML parser.
"""

from __future__ import annotations

import random
import re
import signal
import sys
from pathlib import Path

HANG_S = 2.0

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

import atheris  # noqa: E402 - the path comes first

with atheris.instrument_imports(include=["hoopwright", "geometry", "tomllib"]):
    import seeds
    from contract import TARGETS


_VALUE = re.compile(rb'"[^"\n]*"|(?<=[=,;\t ])-?[0-9.][0-9.eE+-]*')


def mutate(which: str, data: bytes, max_size: int, seed: int) -> bytes:
    """Mutate the data: bytes by the engine, or whole lines and values here."""
    chance = random.Random(seed)
    if chance.random() < 0.5:
        return atheris.Mutate(data, max_size)
    lines = data.split(b"\n")
    for _ in range(chance.randint(1, 3)):
        _change(chance, lines, _LINES[which])
    return b"\n".join(lines)[:max_size]


def _change(chance: random.Random, lines: list[bytes], others: list[bytes]) -> None:
    k = chance.randrange(len(lines))
    how = chance.randrange(6)
    if how == 0 and len(lines) > 1:
        del lines[k]
    elif how == 1:
        lines.insert(k, chance.choice(others))
    elif how == 2:
        lines[k] = chance.choice(others)
    elif how == 3:
        lines[k:k] = lines[k : k + chance.randint(1, 6)]
    else:
        found = list(_VALUE.finditer(lines[k]))
        if found:
            start, end = chance.choice(found).span()
            lines[k] = lines[k][:start] + chance.choice(_WORDS) + lines[k][end:]


_WORDS = [w.encode() for w in seeds.WORDS]
_LINES = {
    which: sorted({line for text in make() for line in text.split(b"\n")})
    for which, make in seeds.SEEDS.items()
}


def _hangs(*_: object) -> None:
    raise TimeoutError(f"more than {HANG_S} s of processor time")


def main() -> None:
    which, folder, *options = sys.argv[1:]
    for number, data in enumerate(seeds.SEEDS[which]()):
        (Path(folder) / f"seed-{number:03d}").write_bytes(data)
    target = TARGETS[which]
    for make in seeds.SEEDS[which]():  # the time for the unit registry and late imports is not the input's
        target(make)
    signal.signal(signal.SIGVTALRM, _hangs)

    def one_input(data: bytes) -> None:
        signal.setitimer(signal.ITIMER_VIRTUAL, HANG_S)
        target(data)
        signal.setitimer(signal.ITIMER_VIRTUAL, 0.0)

    atheris.Setup(
        [sys.argv[0], *options, folder],
        one_input,
        custom_mutator=lambda data, max_size, seed: mutate(which, data, max_size, seed),
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
