//! Every joint in exactly one detail, and details that can be read, for all designs.

use std::collections::BTreeMap;

use case::JointId;

use super::*;
use crate::fixture;
use paper::check;

fn faults(case: &Case) -> Vec<String> {
    let sheets = details(&Solids::of(case));
    let on =
        |s: &Sheet| check::collisions(s).into_iter().map(|c| format!("{}: {}", s.name, c.what)).collect::<Vec<_>>();
    sheets.iter().flat_map(on).collect()
}

#[test]
fn every_joint_is_told_in_one_detail() {
    for (name, _) in design::builtin::DESIGNS {
        let case = fixture::design(name, &[]);
        let mut told: BTreeMap<JointId, usize> = case.joints.iter().map(|j| (j.id, 0)).collect();
        for plan in plans(&case) {
            for j in plan.joints.iter().chain(&plan.same) {
                *told.entry(*j).or_default() += 1;
            }
        }
        let wrong: Vec<_> =
            told.iter().filter(|(_, n)| **n != 1).map(|(j, n)| (j, n, plan::joint(&case, *j))).collect();
        assert!(wrong.is_empty(), "{name}: {wrong:#?}");
    }
}

#[test]
fn details_of_every_design_are_clear() {
    for (name, _) in design::builtin::DESIGNS {
        assert_eq!(faults(&fixture::design(name, &[])), Vec::<String>::new(), "{name}");
    }
}
