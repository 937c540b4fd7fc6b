"""Published examples that ship with the tool: a case each, and beside it what its source prints.

`hoopwright validate` solves them on the reader's machine, the tests in the tree.
"""
