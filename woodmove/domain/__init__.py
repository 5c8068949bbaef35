"""The nouns of the shop, as frozen dataclasses: no input, no output."""
