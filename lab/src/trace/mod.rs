//! Files of load cells: what stands in them, on what evidence, and what a pull was by them.
