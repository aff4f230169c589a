//! The played order of a movement: repeats, endings and jumps unrolled, cuts taken out.
