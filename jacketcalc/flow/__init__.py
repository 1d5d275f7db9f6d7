"""Flow elements and the closed forms that check them."""
