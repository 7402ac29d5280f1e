"""The water: depth windows, submersion on a bed profile, level records."""
