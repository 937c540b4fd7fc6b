"""JSON documents of the results, one module per command or part. Every dimensional key ends in its unit."""
