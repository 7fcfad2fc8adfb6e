//! What is printed reads back as the same length; what is no length never panics.

use measure::{LONGEST, Length, Ruler, Unit, exact, inches, mm, parse};
use proptest::prelude::*;

fn length() -> impl Strategy<Value = Length> {
    let most = LONGEST.nm();
    prop_oneof![
        (-most..=most).prop_map(Length::from_nm),
        (-250_000_i64..=250_000).prop_map(|n| inches(n, 64)),
        (-100_000_i64..=100_000).prop_map(|n| Length::from_nm(n * 100_000)),
    ]
}

fn unit() -> impl Strategy<Value = Unit> {
    prop_oneof![Just(Unit::Inch), Just(Unit::Millimetre)]
}

proptest! {
    #[test]
    fn an_exact_text_reads_back_as_the_same_length(length in length(), unit in unit()) {
        prop_assert_eq!(parse(&exact(length, unit)), Ok(length));
    }

    #[test]
    fn a_reading_reads_back_as_the_nearest_division(length in length(), fine in 0_usize..3) {
        for ruler in [
            Ruler { unit: Unit::Inch, step: [inches(1, 64), inches(1, 32), inches(1, 16)][fine], marks: true },
            Ruler { unit: Unit::Millimetre, step: [Length::from_nm(100_000), Length::from_nm(500_000), mm(1)][fine], marks: true },
        ] {
            let near = length.rounded_to(ruler.step);
            prop_assume!(near.abs() <= LONGEST);
            prop_assert_eq!(parse(&ruler.show(length)), Ok(near));
            prop_assert!((near - length).abs() * 2 <= ruler.step);
            prop_assert_eq!(ruler.read(length).rounded, near != length);
        }
    }

    #[test]
    fn the_spellings_of_one_length_agree(feet in 1_i64..20, whole in 0_i64..12, n in 1_i64..64) {
        let length = inches(feet * 12 + whole, 1) + inches(n, 64);
        let total = feet * 12 + whole;
        for text in [
            format!("{feet}' {whole} {n}/64\""),
            format!("{feet}'-{whole}-{n}/64\""),
            format!("{feet} ft {whole} {n}/64 in"),
            format!("{total} {n}/64 in"),
            format!("{total}-{n}/64in"),
            format!("{}/64 in", total * 64 + n),
        ] {
            prop_assert_eq!(parse(&text), Ok(length), "{}", text);
        }
    }

    #[test]
    fn any_text_is_a_length_or_a_fault_inside_it(text in "[0-9 ./'\"inmftc°½-]{0,24}|\\PC{0,16}") {
        if let Err(fault) = parse(&text) {
            prop_assert!(fault.at.start <= fault.at.end && fault.at.end <= text.len());
            prop_assert!(text.is_char_boundary(fault.at.start) && text.is_char_boundary(fault.at.end));
        }
    }
}
