"""The words and tables of the terminal. Facts come from solver as objects; sentences are made here."""
