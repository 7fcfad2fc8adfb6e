//! A linear program to which columns are added: least cost that covers every row. A revised simplex with the dense
//! inverse of the basis (the rows are kinds of part: tens to a few hundred), primal for new columns and dual for changed
//! rows, so that a search which fixes patterns one by one stays warm. Floating point: what is proven from its duals is
//! proven elsewhere, in whole numbers.

use crate::effort::Effort;

/// Smaller than this is nothing.
const TINY: f64 = 1e-9;
/// A reduced cost that is worth a pivot.
const WORTH: f64 = 1e-7;
/// Pivots after which the inverse is computed afresh, against rounding.
const FRESH: usize = 600;

/// A column: cost and entries by row.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub(crate) cost: f64,
    pub(crate) entries: Vec<(usize, f64)>,
    /// May enter the basis.
    pub(crate) open: bool,
}

/// The program with its current basis.
#[derive(Debug, Clone)]
pub(crate) struct Program {
    rows: usize,
    rhs: Vec<f64>,
    pub(crate) columns: Vec<Column>,
    basis: Vec<usize>,
    basic: Vec<bool>,
    /// By row of the program, then by place in the basis.
    inverse: Vec<f64>,
    values: Vec<f64>,
    duals: Vec<f64>,
    pivots: usize,
}

impl Program {
    /// A program with a row for each right-hand side; `first` holds a column for each row, with that row as its only entry.
    pub(crate) fn new(rhs: Vec<f64>, first: Vec<Column>) -> Self {
        let rows = rhs.len();
        let mut program = Self {
            rows,
            rhs,
            basis: (0..rows).collect(),
            basic: vec![true; first.len()],
            columns: first,
            inverse: vec![0.0; rows * rows],
            values: vec![0.0; rows],
            duals: vec![0.0; rows],
            pivots: 0,
        };
        program.refresh();
        program
    }

    /// Adds a column, outside the basis, and returns its index.
    pub(crate) fn add(&mut self, cost: f64, entries: Vec<(usize, f64)>) -> usize {
        self.columns.push(Column { cost, entries, open: true });
        self.basic.push(false);
        self.columns.len() - 1
    }

    /// The shadow price of each row.
    pub(crate) fn duals(&self) -> &[f64] {
        &self.duals
    }

    /// The cost of the current solution.
    pub(crate) fn value(&self) -> f64 {
        self.basis.iter().zip(&self.values).map(|(&j, v)| self.columns[j].cost * v).sum()
    }

    /// Columns in the basis with their amounts.
    pub(crate) fn solution(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.basis.iter().copied().zip(self.values.iter().copied())
    }

    /// Changes a row's right-hand side; [`dual`](Self::dual) then repairs the solution.
    pub(crate) fn set_row(&mut self, row: usize, rhs: f64) {
        self.rhs[row] = rhs;
    }

    /// The inverse of the basis, values and duals from scratch.
    fn refresh(&mut self) {
        let n = self.rows;
        let mut matrix = vec![0.0; n * n];
        for (place, &j) in self.basis.iter().enumerate() {
            for &(row, a) in &self.columns[j].entries {
                matrix[row * n + place] = a;
            }
        }
        let mut inverse = vec![0.0; n * n];
        for i in 0..n {
            inverse[i * n + i] = 1.0;
        }
        // Gauss & Jordan with row exchange; the exchanges end up in the inverse, so its rows stay in basis order.
        for k in 0..n {
            let best = (k..n).max_by(|&a, &b| matrix[a * n + k].abs().total_cmp(&matrix[b * n + k].abs())).unwrap_or(k);
            if best != k {
                for c in 0..n {
                    matrix.swap(k * n + c, best * n + c);
                    inverse.swap(k * n + c, best * n + c);
                }
            }
            let pivot = matrix[k * n + k];
            if pivot.abs() < 1e-12 {
                continue;
            }
            for c in 0..n {
                matrix[k * n + c] /= pivot;
                inverse[k * n + c] /= pivot;
            }
            let (matrix_row, inverse_row) = (matrix[k * n..][..n].to_vec(), inverse[k * n..][..n].to_vec());
            for r in (0..n).filter(|&r| r != k) {
                let factor = matrix[r * n + k];
                if factor != 0.0 {
                    subtract(&mut matrix[r * n..][..n], factor, &matrix_row);
                    subtract(&mut inverse[r * n..][..n], factor, &inverse_row);
                }
            }
        }
        for row in 0..n {
            for place in 0..n {
                self.inverse[row * n + place] = inverse[place * n + row];
            }
        }
        self.pivots = 0;
        self.revalue();
        self.reprice();
    }

    /// Values from the right-hand sides.
    pub(crate) fn revalue(&mut self) {
        self.values.fill(0.0);
        for (column, &rhs) in self.inverse.chunks_exact(self.rows.max(1)).zip(&self.rhs) {
            subtract(&mut self.values, -rhs, column);
        }
    }

    /// Duals from the costs.
    pub(crate) fn reprice(&mut self) {
        let costs: Vec<f64> = self.basis.iter().map(|&j| self.columns[j].cost).collect();
        for (dual, column) in self.duals.iter_mut().zip(self.inverse.chunks_exact(self.rows.max(1))) {
            *dual = column.iter().zip(&costs).map(|(a, c)| a * c).sum();
        }
    }

    fn reduced(&self, j: usize) -> f64 {
        let column = &self.columns[j];
        column.cost - column.entries.iter().map(|&(row, a)| self.duals[row] * a).sum::<f64>()
    }

    fn direction(&self, j: usize) -> Vec<f64> {
        let mut direction = vec![0.0; self.rows];
        for &(row, a) in &self.columns[j].entries {
            subtract(&mut direction, -a, &self.inverse[row * self.rows..][..self.rows]);
        }
        direction
    }

    fn pivot(&mut self, place: usize, entering: usize, direction: &[f64], effort: &mut Effort<'_>) {
        let n = self.rows;
        effort.spend(n * n + n);
        let price = self.reduced(entering);
        let value = self.values[place] / direction[place];
        subtract(&mut self.values, value, direction);
        self.values[place] = value;
        for (column, dual) in self.inverse.chunks_exact_mut(n.max(1)).zip(&mut self.duals) {
            let a = column[place] / direction[place];
            if a != 0.0 {
                subtract(column, a, direction);
                column[place] = a;
                *dual += price * a;
            }
        }
        self.basic[self.basis[place]] = false;
        self.basic[entering] = true;
        self.basis[place] = entering;
        self.pivots += 1;
        if self.pivots >= FRESH {
            effort.spend(n * n * n);
            self.refresh();
        }
    }

    /// Primal simplex over the columns there are. `false` if the effort ended first.
    pub(crate) fn primal(&mut self, effort: &mut Effort<'_>) -> bool {
        loop {
            if effort.over() {
                return false;
            }
            effort.spend(self.columns.len() * 4);
            let entering = (0..self.columns.len())
                .filter(|&j| self.columns[j].open && !self.basic[j])
                .map(|j| (self.reduced(j), j))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, j)) = entering.filter(|&(price, _)| price < -WORTH) else { return true };
            let direction = self.direction(j);
            let mut leaving: Option<(f64, usize)> = None;
            for (i, &d) in direction.iter().enumerate().filter(|(_, d)| **d > 1e-7) {
                let ratio = self.values[i].max(0.0) / d;
                let better = match leaving {
                    None => true,
                    Some((least, at)) => ratio < least - TINY || (ratio < least + TINY && d > direction[at]),
                };
                if better {
                    leaving = Some((ratio, i));
                }
            }
            let Some((_, place)) = leaving else { return true };
            self.pivot(place, j, &direction, effort);
        }
    }

    /// Dual simplex: makes every value non-negative again. `false` if the effort ended first or it cannot be done.
    pub(crate) fn dual(&mut self, effort: &mut Effort<'_>) -> bool {
        let n = self.rows;
        for _ in 0..20 * n + 100 {
            if effort.over() {
                return false;
            }
            let least = self.values.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1));
            let Some((place, _)) = least.filter(|&(_, &value)| value < -TINY) else { return true };
            effort.spend(self.columns.len() * 8);
            let row: Vec<f64> = self.inverse.iter().skip(place).step_by(n).copied().collect();
            let mut entering: Option<(f64, f64, usize)> = None;
            for j in (0..self.columns.len()).filter(|&j| self.columns[j].open && !self.basic[j]) {
                let a: f64 = self.columns[j].entries.iter().map(|&(i, a)| row[i] * a).sum();
                if a < -1e-7 {
                    let ratio = self.reduced(j).max(0.0) / -a;
                    if entering.is_none_or(|(least, at, _)| ratio < least - TINY || (ratio < least + TINY && a < at)) {
                        entering = Some((ratio, a, j));
                    }
                }
            }
            let Some((_, _, j)) = entering else { return false };
            let direction = self.direction(j);
            self.pivot(place, j, &direction, effort);
        }
        false
    }
}

/// `target − factor × row`.
fn subtract(target: &mut [f64], factor: f64, row: &[f64]) {
    for (t, r) in target.iter_mut().zip(row) {
        *t -= factor * r;
    }
}
