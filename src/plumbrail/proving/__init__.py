"""Proving: what tests should read, what they did read, and what that means."""
