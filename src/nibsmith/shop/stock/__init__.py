"""Materials and what is known of them."""
