"""How plugins, and the commands of the core itself, are plugged in."""
