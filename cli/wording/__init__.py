"""Every sentence of the trade, once; figures, currency and what is left out of redacted sheets are passed in."""
