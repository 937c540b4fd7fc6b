"""The bench page: the job in its order in a browser of the same machine. Needs the extra [page]."""
