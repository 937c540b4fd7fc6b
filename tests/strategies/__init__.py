"""hypothesis strategies for case files: valid ones over every table, and ones with something wrong.

A case file is built as nested dicts and lists and written as TOML by `toml`, so that a mutation can
reach any key. All sizes are invented.
"""

from strategies.cases import LOG_NAME, pressed_with_log, valid
from strategies.mutations import TABLE, mutated
from strategies.toml_writer import Document, toml

__all__ = ["LOG_NAME", "TABLE", "Document", "mutated", "pressed_with_log", "toml", "valid"]
