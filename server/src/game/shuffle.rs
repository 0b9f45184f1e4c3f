//! The shuffle: ChaCha20 and our own small Fisher-Yates, fixed by a stored vector.
