//! Holding a body: choosing supports, and finding parts that are not held.

use super::PlaneError;
use super::pattern::Pattern;
use geometry::curve::Point;
use geometry::mesh::Mesh;

/// Three statically determinate supports: unknowns that stop the rigid motions of a connected body and nothing else.
///
/// One node is held both ways, a second one across the line between the two. They are corners of triangles, as far apart as
/// the body allows, so that the factor is well conditioned. Under balanced loads the supports carry nothing. Nodes for
/// which `avoid` is true are left out. None when fewer than two nodes remain.
#[must_use]
pub fn three_supports(mesh: &Mesh, avoid: &dyn Fn(u32) -> bool) -> Option<[u32; 3]> {
    let mut corner = vec![false; mesh.points.len()];
    for t in &mesh.triangles {
        for &node in &t[..3] {
            corner[node as usize] = true;
        }
    }
    let candidates: Vec<u32> =
        (0..mesh.points.len() as u32).filter(|n| corner[*n as usize] && !avoid(*n)).collect();
    let farthest = |from: Point| {
        // The first of equals wins, so the choice is always the same.
        candidates.iter().copied().fold(None, |best: Option<(u32, f64)>, node| {
            let p = mesh.points[node as usize];
            let distance = (p[0] - from[0]).hypot(p[1] - from[1]);
            if best.is_none_or(|(_, d)| distance > d) { Some((node, distance)) } else { best }
        })
    };
    let (first, _) = farthest(*mesh.points.first()?)?;
    let (second, distance) = farthest(mesh.points[first as usize])?;
    if distance <= 0.0 {
        return None;
    }
    let (p, q) = (mesh.points[first as usize], mesh.points[second as usize]);
    let across = if (q[0] - p[0]).abs() >= (q[1] - p[1]).abs() { 1 } else { 0 };
    Some([2 * first, 2 * first + 1, 2 * second + across])
}

/// Checks that the held unknowns stop every rigid motion of every connected part.
///
/// # Errors
/// [`PlaneError::HeldUnknown`] for an unknown that does not exist, [`PlaneError::NotHeld`] for a part that can move.
pub fn check_held(points: &[Point], pattern: &Pattern, held: &[u32]) -> Result<(), PlaneError> {
    let unknowns = 2 * points.len();
    if let Some(&unknown) = held.iter().find(|u| **u as usize >= unknowns) {
        return Err(PlaneError::HeldUnknown { unknown, unknowns });
    }
    let parts = connected_parts(pattern);
    let mut held_by_part: Vec<(u32, u32)> = held.iter().map(|&u| (parts[(u / 2) as usize], u)).collect();
    held_by_part.sort_unstable();
    for (node, &part) in parts.iter().enumerate() {
        // A part is named after its first node.
        if part as usize != node {
            continue;
        }
        let start = held_by_part.partition_point(|(p, _)| *p < part);
        let end = held_by_part.partition_point(|(p, _)| *p <= part);
        if !stops_rigid_motion(points, &held_by_part[start..end]) {
            return Err(PlaneError::NotHeld { node: part });
        }
    }
    Ok(())
}

/// For each node the first node of its connected part.
fn connected_parts(pattern: &Pattern) -> Vec<u32> {
    let mut part: Vec<u32> = (0..pattern.nodes() as u32).collect();
    fn root(part: &mut [u32], mut node: u32) -> u32 {
        while part[node as usize] != node {
            part[node as usize] = part[part[node as usize] as usize];
            node = part[node as usize];
        }
        node
    }
    for column in 0..pattern.nodes() {
        for &row in pattern.lower().lane(column) {
            let (a, b) = (root(&mut part, column as u32), root(&mut part, row as u32));
            part[a.max(b) as usize] = a.min(b);
        }
    }
    for node in 0..pattern.nodes() as u32 {
        part[node as usize] = root(&mut part, node);
    }
    part
}

/// Whether the displacements held admit no translation and no turn: their 3 x 3 matrix of products has full rank.
fn stops_rigid_motion(points: &[Point], held: &[(u32, u32)]) -> bool {
    let at = |unknown: u32| points[(unknown / 2) as usize];
    let count = held.len().max(1) as f64;
    let centre = [0, 1].map(|i| held.iter().map(|(_, u)| at(*u)[i]).sum::<f64>() / count);
    let reach = held
        .iter()
        .map(|(_, u)| (at(*u)[0] - centre[0]).hypot(at(*u)[1] - centre[1]))
        .fold(0.0, |a: f64, b| if b > a { b } else { a });
    if reach == 0.0 {
        return false;
    }
    let mut products = nalgebra::Matrix3::<f64>::zeros();
    for &(_, unknown) in held {
        let (x, y) = ((at(unknown)[0] - centre[0]) / reach, (at(unknown)[1] - centre[1]) / reach);
        let row = if unknown % 2 == 0 {
            nalgebra::Vector3::new(1.0, 0.0, -y)
        } else {
            nalgebra::Vector3::new(0.0, 1.0, x)
        };
        products += row * row.transpose();
    }
    // The square of 1e-6: supports that nearly meet in a point count as not holding.
    products.symmetric_eigenvalues().min() > 1e-12 * count
}

#[cfg(test)]
mod tests {
    use super::super::grid::grid;
    use super::*;

    #[test]
    fn supports_are_far_apart_and_hold() {
        let mesh = grid(6, 2, &|p| [12.0 * p[0], 4.0 * p[1]]);
        let held = three_supports(&mesh, &|_| false).unwrap();
        // Node 64 is the corner (12, 4), node 0 the corner (0, 0): held across the long way, along y.
        assert_eq!(held, [128, 129, 1]);
        let pattern = Pattern::new(&mesh).unwrap();
        assert!(check_held(&mesh.points, &pattern, &held).is_ok());
        let others = three_supports(&mesh, &|n| n == 0 || n == 64).unwrap();
        assert!(others.iter().all(|u| u / 2 != 0 && u / 2 != 64));
        assert!(three_supports(&mesh, &|_| true).is_none());
    }

    #[test]
    fn loose_parts_are_named() {
        let mesh = grid(2, 2, &|p| p);
        let pattern = Pattern::new(&mesh).unwrap();
        let check = |held: &[u32]| check_held(&mesh.points, &pattern, held);
        assert_eq!(check(&[]), Err(PlaneError::NotHeld { node: 0 }));
        // Both ways at one node leaves a turn.
        assert_eq!(check(&[0, 1]), Err(PlaneError::NotHeld { node: 0 }));
        // Three times along x leaves sliding along y.
        assert_eq!(check(&[0, 20, 40]), Err(PlaneError::NotHeld { node: 0 }));
        // Node 4 is at (1, 0): holding its x repeats what holding node 0 did, its y stops the turn.
        assert_eq!(check(&[0, 1, 8]), Err(PlaneError::NotHeld { node: 0 }));
        assert_eq!(check(&[0, 1, 9]), Ok(()));
        assert_eq!(check(&[50]), Err(PlaneError::HeldUnknown { unknown: 50, unknowns: 50 }));
    }

    #[test]
    fn two_parts_must_both_be_held() {
        let mut mesh = grid(1, 1, &|p| p);
        let second = grid(1, 1, &|p| [p[0] + 5.0, p[1]]);
        mesh.points.extend(second.points);
        mesh.triangles.extend(second.triangles.iter().map(|t| t.map(|n| n + 9)));
        let pattern = Pattern::new(&mesh).unwrap();
        assert_eq!(check_held(&mesh.points, &pattern, &[0, 1, 5]), Err(PlaneError::NotHeld { node: 9 }));
        assert_eq!(check_held(&mesh.points, &pattern, &[0, 1, 5, 18, 19, 23]), Ok(()));
    }
}
