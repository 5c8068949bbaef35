"""What several questions need: groups of parameters, and how their values are read."""
