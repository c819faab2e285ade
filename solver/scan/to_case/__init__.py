"""Measurements as facts of a case, and their drawing."""
