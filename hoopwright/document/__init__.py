"""Results as JSON documents, one file per command or part. Every dimensional name ends in its unit."""
