"""What to do about a reading: drills, a day's blocks, how much sprinting, groups of athletes."""
