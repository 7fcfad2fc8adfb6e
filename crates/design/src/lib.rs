//! Standard designs and orders: parameters, formulas, the resolved specification.
