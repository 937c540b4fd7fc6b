"""What differs between two repairs: inputs, margins, rows and verdict, of records or of case files."""
