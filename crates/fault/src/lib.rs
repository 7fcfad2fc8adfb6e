//! Faults in input files: place, reason, mend; and the reader that collects them.
