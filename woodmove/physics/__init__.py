"""Relations between numbers: floats or NumPy arrays in, the same out. Every one cites a source key."""
