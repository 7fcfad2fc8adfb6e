//! Dual feasible functions: sizes changed so that whatever fitted before still fits, and the sum of the changed sizes
//! bounds the bars or sheets from below. In one dimension by themselves, in two as products.
//!
//! **References** Fekete & Schepers 2001, Math. Prog. 91:11–31; Carlier, Clautiaux & Moukrim 2007, Comput. Oper. Res.
//! 34:2223–2250.

/// A function of a size, with the parameter that shapes it.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Dual {
    /// The size itself.
    Same,
    /// Sizes near the whole become the whole, sizes under `0` nothing.
    Ends(i64),
    /// Rounds to `0`-ths of the whole where (size × (`0` + 1)) does not divide it.
    Steps(i64),
    /// Counts multiples of `0`, from below under the half and from above over it.
    Halves(i64),
}

impl Dual {
    /// The changed size as numerator; [`whole`](Self::whole) is what a bar then holds.
    pub(crate) fn of(self, size: i64, whole: i64) -> i64 {
        match self {
            Self::Same => size,
            Self::Ends(e) if size > whole - e => whole,
            Self::Ends(e) if size < e => 0,
            Self::Ends(_) => size,
            Self::Steps(k) if size * (k + 1) % whole == 0 => size * k,
            Self::Steps(k) => size * (k + 1) / whole * whole,
            Self::Halves(k) => match (2 * size).cmp(&whole) {
                std::cmp::Ordering::Greater => 2 * (whole / k - (whole - size) / k),
                std::cmp::Ordering::Equal => whole / k,
                std::cmp::Ordering::Less => 2 * (size / k),
            },
        }
    }

    /// What one bar holds of changed sizes.
    pub(crate) const fn whole(self, whole: i64) -> i64 {
        match self {
            Self::Same | Self::Ends(_) => whole,
            Self::Steps(k) => whole * k,
            Self::Halves(k) => 2 * (whole / k),
        }
    }

    /// The functions worth trying for these sizes, at most about `most`.
    pub(crate) fn family(sizes: &[i64], whole: i64, most: usize) -> Vec<Self> {
        let mut cuts: Vec<i64> = sizes.iter().flat_map(|&s| [s, whole - s, whole - s + 1]).collect();
        cuts.retain(|&c| c > 0 && 2 * c <= whole);
        cuts.sort_unstable();
        cuts.dedup();
        let skip = (cuts.len() * 2).div_ceil(most.max(1)).max(1);
        let mut family = vec![Self::Same];
        family.extend((1..=20).map(Self::Steps));
        family.extend(cuts.iter().step_by(skip).flat_map(|&c| [Self::Ends(c), Self::Halves(c)]));
        family
    }
}
