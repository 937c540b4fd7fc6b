"""What to do with parts that are finished and came out as they did: press them, or a way out."""
