"""The site: the lie of the ground."""
