"""What was measured and how sure it is: readings to sizes with their uncertainty."""
