"""The drawing of the sleeve to make and of the shell's bore: dimensions, sheet, and its two files."""
