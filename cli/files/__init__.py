"""Files in and out: kinds, reading, writing whole, YAML edited without losing comments, stock and price booking."""
