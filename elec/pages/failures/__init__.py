"""What failures and shorts take."""
