"""The trench from the combiner to the equipment: route, profile, pulling, quantities."""
