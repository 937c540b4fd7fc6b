"""The version of this tool."""

VERSION = "0.1.0"
