"""Energy, time, area and shipping."""
