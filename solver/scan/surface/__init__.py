"""A surface in a file: what kind of file it is, its triangles, slices and samples of it."""
