"""Commands and reports. No rule of the trade lives here."""
