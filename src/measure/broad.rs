use glam::DVec3;

/// Pairs of boxes (least and greatest corner) whose distance is at most `reach` mm, each with the smaller index first, in rising
/// order.
///
/// Boxes are swept along the axis over which they are spread most, so the cost is that of sorting and of the boxes that overlap
/// in that one direction.
#[must_use]
pub fn near_pairs(boxes: &[[DVec3; 2]], reach: f64) -> Vec<(usize, usize)> {
    let Some(axis) = widest(boxes) else {
        return Vec::new();
    };
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|&i, &j| {
        boxes[i][0][axis]
            .total_cmp(&boxes[j][0][axis])
            .then(i.cmp(&j))
    });

    let mut out = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    for &i in &order {
        let [low, high] = boxes[i];
        let mut k = 0;
        while k < open.len() {
            let j = open[k];
            if boxes[j][1][axis] + reach < low[axis] {
                open.swap_remove(k);
                continue;
            }
            let apart = (low - boxes[j][1]).max(boxes[j][0] - high).max(DVec3::ZERO);
            if apart.length_squared() <= reach * reach {
                out.push((i.min(j), i.max(j)));
            }
            k += 1;
        }
        open.push(i);
    }
    out.sort_unstable();
    out
}

/// Boxes (least and greatest corner) sorted so that those near a given one are found without trying all.
#[derive(Debug, Default)]
pub struct BoxIndex {
    boxes: Vec<[DVec3; 2]>,
    /// Of the boxes, so that each node's are neighbours.
    order: Vec<u32>,
    nodes: Vec<BoxNode>,
}

#[derive(Debug)]
struct BoxNode {
    room: [DVec3; 2],
    /// Its boxes within the order.
    own: [u32; 2],
    /// Its second half; the first half follows it. None for a leaf.
    second: Option<u32>,
}

/// Most boxes of a leaf.
const LEAF: usize = 8;

impl BoxIndex {
    /// Sorts the boxes.
    #[must_use]
    pub fn new(boxes: Vec<[DVec3; 2]>) -> BoxIndex {
        let mut index = BoxIndex {
            order: (0..boxes.len() as u32).collect(),
            boxes,
            nodes: Vec::new(),
        };
        if !index.boxes.is_empty() {
            index.split(0, index.boxes.len());
        }
        index
    }

    /// The box of that number.
    #[must_use]
    pub fn of(&self, i: usize) -> [DVec3; 2] {
        self.boxes[i]
    }

    fn split(&mut self, from: usize, to: usize) {
        let boxes = &self.boxes;
        let own = &mut self.order[from..to];
        let room = own
            .iter()
            .map(|&i| boxes[i as usize])
            .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
            .unwrap_or_default();
        let node = self.nodes.len();
        self.nodes.push(BoxNode {
            room,
            own: [from as u32, to as u32],
            second: None,
        });
        if to - from <= LEAF {
            return;
        }
        let axis = (room[1] - room[0]).max_position();
        let middle = (to - from) / 2;
        let place = |i: &u32| boxes[*i as usize][0][axis] + boxes[*i as usize][1][axis];
        own.select_nth_unstable_by(middle, |i, j| place(i).total_cmp(&place(j)).then(i.cmp(j)));
        self.split(from, from + middle);
        self.nodes[node].second = Some(self.nodes.len() as u32);
        self.split(from + middle, to);
    }

    /// The numbers of the boxes that along every axis are no more than `reach` mm from `room`, in rising order.
    #[must_use]
    pub fn near(&self, room: [DVec3; 2], reach: f64) -> Vec<usize> {
        let far = |b: &[DVec3; 2]| (b[0] - room[1]).max(room[0] - b[1]).max_element() > reach;
        let mut out = Vec::new();
        let mut open = if self.nodes.is_empty() {
            Vec::new()
        } else {
            vec![0]
        };
        while let Some(k) = open.pop() {
            let node = &self.nodes[k];
            if far(&node.room) {
                continue;
            }
            if let Some(second) = node.second {
                open.push(k + 1);
                open.push(second as usize);
                continue;
            }
            let own = &self.order[node.own[0] as usize..node.own[1] as usize];
            out.extend(
                own.iter()
                    .map(|&i| i as usize)
                    .filter(|&i| !far(&self.boxes[i])),
            );
        }
        out.sort_unstable();
        out
    }
}

/// The axis along which the middles of the boxes are spread most.
fn widest(boxes: &[[DVec3; 2]]) -> Option<usize> {
    let middle = |b: &[DVec3; 2]| b[0] + b[1];
    let first = middle(boxes.first()?);
    let (low, high) = boxes
        .iter()
        .map(middle)
        .fold((first, first), |(l, h), m| (l.min(m), h.max(m)));
    Some((high - low).max_position())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn finds_the_same_pairs_as_trying_all(
            seeds in proptest::collection::vec(((-90.0..90.0, -90.0..90.0, -90.0..90.0), (0.0..30.0, 0.0..30.0, 0.0..30.0)), 0..40),
            reach in 0.0..40.0,
        ) {
            let boxes: Vec<[DVec3; 2]> = seeds
                .into_iter()
                .map(|((x, y, z), (w, d, h))| [DVec3::new(x, y, z), DVec3::new(x + w, y + d, z + h)])
                .collect();
            let mut all = Vec::new();
            for i in 0..boxes.len() {
                for j in i + 1..boxes.len() {
                    let d: f64 = (0..3)
                        .map(|k| (boxes[i][0][k] - boxes[j][1][k]).max(boxes[j][0][k] - boxes[i][1][k]).max(0.0).powi(2))
                        .sum();
                    if d.sqrt() <= reach {
                        all.push((i, j));
                    }
                }
            }
            prop_assert_eq!(near_pairs(&boxes, reach), all);
            let index = BoxIndex::new(boxes.clone());
            for room in &boxes {
                let tried: Vec<usize> = (0..boxes.len())
                    .filter(|&j| (boxes[j][0] - room[1]).max(room[0] - boxes[j][1]).max_element() <= reach)
                    .collect();
                prop_assert_eq!(index.near(*room, reach), tried);
            }
        }
    }
}
