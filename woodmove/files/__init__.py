"""What people keep on disk."""
