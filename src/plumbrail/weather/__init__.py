"""A year of weather: what a file of it says."""
