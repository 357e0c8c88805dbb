"""The product manager's desk: editions, drafts, impact, and the catalog for reading."""
