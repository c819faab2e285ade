"""A bar measured in a surface scan, and written as facts of a case: `measure.measure_bar` and `to_case.as_case`."""
