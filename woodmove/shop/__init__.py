"""The nouns of the trade: frozen dataclasses, the unit in each field name, no I/O."""
