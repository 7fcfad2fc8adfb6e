//! How one sheet is cut, as a tree: a leaf is a part, a branch puts two cuttings side by side or one above the other.
//! Every node has the least size that holds what is in it, so a tree stands for all its layouts at once, and whatever room
//! is left can be used anywhere in it. Any such tree is cut by guillotine cuts, from the root down.

/// Which way a cut runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Join {
    /// Side by side along x: the cut runs along y.
    Beside,
    /// One above the other along y: the cut runs along x.
    Above,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    /// A part of this kind, turned a quarter or not.
    Part { kind: usize, turned: bool },
    /// Two nodes.
    Pair { join: Join, first: usize, second: usize },
    /// Unused.
    Gone,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Node {
    parent: usize,
    pub(crate) what: What,
    pub(crate) w: i64,
    pub(crate) h: i64,
}

/// Nowhere.
const NONE: usize = usize::MAX;

/// The cutting of one sheet.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tree {
    nodes: Vec<Node>,
    gone: Vec<usize>,
    root: Option<usize>,
    parts: usize,
}

/// A place in a tree for one more part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Spot {
    /// The node it joins; `None` in an empty tree.
    pub(crate) node: Option<usize>,
    pub(crate) join: Join,
    /// Before the node (left of it, or below) instead of after.
    pub(crate) before: bool,
    pub(crate) turned: bool,
}

impl Tree {
    pub(crate) const fn root(&self) -> Option<usize> {
        self.root
    }

    pub(crate) fn node(&self, i: usize) -> &Node {
        &self.nodes[i]
    }

    pub(crate) const fn parts(&self) -> usize {
        self.parts
    }

    /// The kinds of the parts in a node.
    pub(crate) fn kinds(&self, node: usize) -> impl Iterator<Item = usize> + '_ {
        let mut stack = vec![node];
        std::iter::from_fn(move || {
            loop {
                match self.nodes[stack.pop()?].what {
                    What::Part { kind, .. } => return Some(kind),
                    What::Pair { first, second, .. } => stack.extend([first, second]),
                    What::Gone => {}
                }
            }
        })
    }

    /// Nodes that are in use.
    pub(crate) fn live(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.nodes.len()).filter(|&i| self.nodes[i].what != What::Gone)
    }

    /// Every part: its node and kind.
    pub(crate) fn leaves(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.nodes.iter().enumerate().filter_map(|(i, n)| match n.what {
            What::Part { kind, .. } => Some((i, kind)),
            _ => None,
        })
    }

    fn add(&mut self, node: Node) -> usize {
        match self.gone.pop() {
            Some(i) => {
                self.nodes[i] = node;
                i
            }
            None => {
                self.nodes.push(node);
                self.nodes.len() - 1
            }
        }
    }

    /// Puts a part of size `w` × `h` (as it lies) at a spot; its node.
    pub(crate) fn insert(&mut self, kind: usize, w: i64, h: i64, spot: Spot) -> usize {
        let leaf = self.add(Node { parent: NONE, what: What::Part { kind, turned: spot.turned }, w, h });
        self.parts += 1;
        let Some(node) = spot.node else {
            self.root = Some(leaf);
            return leaf;
        };
        let parent = self.nodes[node].parent;
        let (first, second) = if spot.before { (leaf, node) } else { (node, leaf) };
        let pair = self.add(Node { parent, what: What::Pair { join: spot.join, first, second }, w: 0, h: 0 });
        self.replace(parent, node, pair);
        self.nodes[node].parent = pair;
        self.nodes[leaf].parent = pair;
        self.resize(pair);
        leaf
    }

    /// The pair that a node is part of.
    pub(crate) fn parent(&self, i: usize) -> Option<usize> {
        Some(self.nodes[i].parent).filter(|&p| p != NONE)
    }

    fn replace(&mut self, parent: usize, old: usize, new: usize) {
        if parent == NONE {
            self.root = Some(new);
        } else if let What::Pair { first, second, .. } = &mut self.nodes[parent].what {
            *if *first == old { first } else { second } = new;
        }
    }

    /// Least sizes from a node up.
    fn resize(&mut self, mut i: usize) {
        while i != NONE {
            if let What::Pair { join, first, second } = self.nodes[i].what {
                let (a, b) = (self.nodes[first], self.nodes[second]);
                let (w, h) = match join {
                    Join::Beside => (a.w + b.w, a.h.max(b.h)),
                    Join::Above => (a.w.max(b.w), a.h + b.h),
                };
                if (w, h) == (self.nodes[i].w, self.nodes[i].h) {
                    return;
                }
                self.nodes[i].w = w;
                self.nodes[i].h = h;
            }
            i = self.nodes[i].parent;
        }
    }

    /// Takes a node out with all that is in it; the kinds taken go to `out`.
    pub(crate) fn remove(&mut self, node: usize, out: &mut Vec<usize>) {
        let parent = self.nodes[node].parent;
        if parent == NONE {
            self.root = None;
        } else if let What::Pair { first, second, .. } = self.nodes[parent].what {
            let sibling = if first == node { second } else { first };
            let above = self.nodes[parent].parent;
            self.replace(above, parent, sibling);
            self.nodes[sibling].parent = above;
            self.drop_node(parent);
            self.resize(above);
        }
        let mut stack = vec![node];
        while let Some(i) = stack.pop() {
            match self.nodes[i].what {
                What::Part { kind, .. } => {
                    out.push(kind);
                    self.parts -= 1;
                }
                What::Pair { first, second, .. } => stack.extend([first, second]),
                What::Gone => {}
            }
            self.drop_node(i);
        }
    }

    /// Puts another cutting, whose kinds have these names, in the place of a node; the kinds taken out go to `out`.
    pub(crate) fn graft(&mut self, node: usize, cutting: &Self, names: &[usize], out: &mut Vec<usize>) {
        let Some(root) = cutting.root else { return self.remove(node, out) };
        let parent = self.nodes[node].parent;
        let new = self.copy(cutting, root, names, parent);
        self.replace(parent, node, new);
        // The old branch has no parent now, so taking it out leaves the rest alone.
        self.nodes[node].parent = NONE;
        let root = self.root;
        self.remove(node, out);
        self.root = root;
        self.resize(parent);
    }

    fn copy(&mut self, of: &Self, node: usize, names: &[usize], parent: usize) -> usize {
        let Node { what, w, h, .. } = of.nodes[node];
        let new = self.add(Node { parent, what, w, h });
        match what {
            What::Part { kind, turned } => {
                self.parts += 1;
                self.nodes[new].what = What::Part { kind: names[kind], turned };
            }
            What::Pair { join, first, second } => {
                let (first, second) = (self.copy(of, first, names, new), self.copy(of, second, names, new));
                self.nodes[new].what = What::Pair { join, first, second };
            }
            What::Gone => {}
        }
        new
    }

    fn drop_node(&mut self, i: usize) {
        self.nodes[i].what = What::Gone;
        self.gone.push(i);
    }

    /// Calls `visit` for every node with the room that it may grow to on a sheet of `w` × `h`.
    pub(crate) fn rooms(
        &self,
        w: i64,
        h: i64,
        stack: &mut Vec<(usize, i64, i64)>,
        mut visit: impl FnMut(usize, &Node, i64, i64),
    ) {
        stack.clear();
        stack.extend(self.root.map(|root| (root, w, h)));
        while let Some((i, w, h)) = stack.pop() {
            let node = &self.nodes[i];
            visit(i, node, w, h);
            if let What::Pair { join, first, second } = node.what {
                let (a, b) = (&self.nodes[first], &self.nodes[second]);
                match join {
                    Join::Beside => {
                        let slack = w - node.w;
                        stack.extend([(first, a.w + slack, h), (second, b.w + slack, h)]);
                    }
                    Join::Above => {
                        let slack = h - node.h;
                        stack.extend([(first, w, a.h + slack), (second, w, b.h + slack)]);
                    }
                }
            }
        }
    }
}
