"""What ASCE 7-16 and ASCE 7-22 have in common, and the lookups both editions use."""
