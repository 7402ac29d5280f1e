"""The weather: hourly records, sky-corrected air, sun."""
