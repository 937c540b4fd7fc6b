"""The steps of the job, in the order of work."""
