"""Steel pipe members by AISC 360 (2022 edition; the provisions used read the same in 2016)."""
