"""What an answer is, and what is asked. Loads without NumPy."""
