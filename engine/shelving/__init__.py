"""Trees sent from shop to shop, and put on a shop's own shelf."""
