"""Design basis ``us``: loads by ASCE 7-16 or ASCE 7-22, one provision per function."""
