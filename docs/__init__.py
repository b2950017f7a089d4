"""Programs that make pages of the documentation."""
