//! What the program says when nothing is asked of it.

/// What it is for, and what to try.
pub const WELCOME: &str = "\
pullmap shows the inside of a connector on the pull bench: which way the force goes, how much the
spine and the gate carry, what fails first and at which load, and what would change that.

Try:
  pullmap map broadbar-alu             a built-in connector: a picture, findings, a short answer
  pullmap map broadbar-alu --set rig.both.offset_mm=15
                                       the same with both straps 15 mm nearer to the gate
  pullmap new mine.toml                a form for your own, in the order in which you measure it

Built in: broadbar-alu, broadbar-steel, offset-d, oval, pear. All commands: pullmap --help
";
