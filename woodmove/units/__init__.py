"""Numbers as text, in inches or in millimetres: what is typed, and what is printed."""
