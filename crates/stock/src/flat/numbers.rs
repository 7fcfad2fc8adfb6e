//! How often each part is used, packed into a few machine words, so that adding two cuttings and asking whether any part
//! would then be used too often takes a few steps, however many parts there are.

use super::Part;

/// Numbers of all parts: a field of bits for each, with a bit over it that shows when the field is too full.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Numbers<const WORDS: usize>([u64; WORDS]);

/// Where the field of each part is.
#[derive(Debug)]
pub(crate) struct Fields<const WORDS: usize> {
    places: Vec<(usize, u32)>,
    /// Added to a field this reaches the bit over it just when the part is used too often.
    spare: [u64; WORDS],
    over: [u64; WORDS],
}

/// Numbers above this are not told apart from more.
const MOST: usize = 255;

impl<const WORDS: usize> Numbers<WORDS> {
    pub(crate) const NONE: Self = Self([0; WORDS]);
}

/// Words that the fields of these parts take.
pub(crate) fn words(parts: &[Part]) -> usize {
    lay(parts).last().map_or(0, |&(word, _, _)| word + 1)
}

/// Word, first bit and width of each field; none reaches over the end of a word.
fn lay(parts: &[Part]) -> Vec<(usize, u32, u32)> {
    let (mut word, mut bit) = (0, 0);
    let field = |part: &Part| {
        let width = u64::BITS - (part.count.min(MOST) as u64).leading_zeros();
        if bit + width + 1 > u64::BITS {
            (word, bit) = (word + 1, 0);
        }
        let field = (word, bit, width);
        bit += width + 1;
        field
    };
    parts.iter().map(field).collect()
}

impl<const WORDS: usize> Fields<WORDS> {
    /// The fields, if they find room.
    pub(crate) fn new(parts: &[Part]) -> Option<Self> {
        let (mut spare, mut over) = ([0; WORDS], [0; WORDS]);
        let mut places = Vec::with_capacity(parts.len());
        for (part, (word, bit, width)) in parts.iter().zip(lay(parts)) {
            let full = (1_u64 << width) - 1;
            *spare.get_mut(word)? |= (full - part.count.min(MOST) as u64) << bit;
            over[word] |= 1 << (bit + width);
            places.push((word, bit));
        }
        Some(Self { places, spare, over })
    }

    /// One of a part.
    pub(crate) fn one(&self, kind: usize) -> Numbers<WORDS> {
        let mut numbers = Numbers::NONE;
        let (word, bit) = self.places[kind];
        numbers.0[word] = 1 << bit;
        numbers
    }

    /// Both together, unless a part would then be used more often than it is there.
    pub(crate) fn sum(&self, a: &Numbers<WORDS>, b: &Numbers<WORDS>) -> Option<Numbers<WORDS>> {
        let mut sum = a.0;
        let mut over = 0;
        for ((sum, b), (spare, bit)) in sum.iter_mut().zip(&b.0).zip(self.spare.iter().zip(&self.over)) {
            *sum += b;
            over |= (*sum + spare) & bit;
        }
        (over == 0).then_some(Numbers(sum))
    }
}

#[cfg(test)]
mod tests {
    use super::super::Part;
    use super::{Fields, words};

    fn parts(counts: &[usize]) -> Vec<Part> {
        let part = |&count: &usize| Part { w: 1, h: 1, turns: false, count, value: 1, shows: true, together: false };
        counts.iter().map(part).collect()
    }

    /// Every part by itself is taken as often as it is there and no oftener, whatever else is full already.
    #[test]
    fn each_part_is_counted_by_itself() {
        let counts: Vec<usize> = (0..40).map(|i| [1, 2, 3, 7, 8, 200][i % 6]).collect();
        let parts = parts(&counts);
        assert_eq!(words(&parts), 3);
        assert!(Fields::<2>::new(&parts).is_none());
        let fields = Fields::<3>::new(&parts).expect("there is room");
        let mut all = super::Numbers::NONE;
        for (kind, &count) in counts.iter().enumerate() {
            let one = fields.one(kind);
            for _ in 0..count {
                all = fields.sum(&all, &one).expect("one more is there");
            }
            assert_eq!(fields.sum(&all, &one), None);
        }
    }

    #[test]
    fn what_is_not_there_is_never_taken() {
        let fields = Fields::<1>::new(&parts(&[0, 5])).expect("there is room");
        assert_eq!(fields.sum(&super::Numbers::NONE, &fields.one(0)), None);
    }
}
