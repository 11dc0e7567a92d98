"""What tablets have sent, what they still keep, and which holds they have shown."""
