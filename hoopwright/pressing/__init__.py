"""Getting the sleeve in: force against travel, heat and cold, and what the press told afterwards."""
