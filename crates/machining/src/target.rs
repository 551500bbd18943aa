//! The surface that a program has to leave.

/// What is to be left standing, in program coordinates, mm.
pub trait Target: Sync {
    /// Height of the finished surface over `(x, y)`; `None` outside the part.
    fn height(&self, x: f64, y: f64) -> Option<f64>;

    /// A bound on how steep the surface is anywhere within `reach` mm of `(x, y)`, rise over run; `None` where it has an edge there
    /// or none is known. It spares looking around a place that stands far above the surface.
    fn steepest_near(&self, _x: f64, _y: f64, _reach: f64) -> Option<f64> {
        None
    }

    /// Box that holds the part in plan: least x, least y, greatest x, greatest y.
    fn bounds(&self) -> [f64; 4];

    /// Height of the material that the first program of the setup meets over `(x, y)`; `None` for the stock's raw top.
    fn stock(&self, _x: f64, _y: f64) -> Option<f64> {
        None
    }

    /// Highest that material may stand beside the part, as in the kerf of an outline; `None` where it may stay as it is.
    fn kerf(&self, _x: f64, _y: f64) -> Option<f64> {
        None
    }

    /// Upright walls of the part, as closed lines of points; the part lies on the left. A wall is judged at points beside
    /// it, because a grid sees no more of it than its own step. Empty where no wall is cut.
    fn walls(&self) -> Vec<Vec<[f64; 2]>> {
        Vec::new()
    }

    /// Highest that material may stand at a place right beside a wall; `None` where the wall is not cut, or where the cutter does
    /// not reach into an inner corner.
    fn foot(&self, x: f64, y: f64) -> Option<f64> {
        self.kerf(x, y)
    }

    /// Number of the cutter that cuts the walls, if they are done before the part is: they are judged after its program. `None`
    /// if they are judged after the last program.
    fn walled_by(&self) -> Option<u32> {
        None
    }

    /// How far above the finished surface at `(x, y)` the cutters of the setup cannot but leave material, mm, because they do
    /// not fit an inner corner. Counts only where material stands too high.
    fn unreached(&self, _x: f64, _y: f64) -> f64 {
        0.0
    }
}
