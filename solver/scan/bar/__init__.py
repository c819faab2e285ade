"""The bar as a body: its centre line, where it begins and ends, its supports and balls."""
