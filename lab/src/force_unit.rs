//! Units of a load, as benches and loggers write them.

/// A unit of load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ForceUnit {
    /// Newton.
    N,
    /// Ten newtons.
    DaN,
    /// Kilonewton.
    KN,
    /// What weighs a gram: gram-force.
    Gf,
    /// What weighs a kilogram, often shown as kg.
    Kgf,
    /// What weighs a tonne, often shown as t.
    Tf,
    /// What weighs a pound, often shown as lb.
    Lbf,
    /// A thousand pounds.
    Klbf,
}

impl ForceUnit {
    /// All of them.
    pub const ALL: [Self; 8] =
        [Self::N, Self::DaN, Self::KN, Self::Gf, Self::Kgf, Self::Tf, Self::Lbf, Self::Klbf];

    /// How many kN one of it is: standard gravity 9.80665 m/s^2, the pound of 0.45359237 kg (both exact by definition).
    #[must_use]
    pub const fn kn(self) -> f64 {
        match self {
            Self::N => 1e-3,
            Self::DaN => 1e-2,
            Self::KN => 1.0,
            Self::Gf => 9.806_65e-6,
            Self::Kgf => 9.806_65e-3,
            Self::Tf => 9.806_65,
            Self::Lbf => 4.448_221_615_260_5e-3,
            Self::Klbf => 4.448_221_615_260_5,
        }
    }

    /// Its sign.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::N => "N",
            Self::DaN => "daN",
            Self::KN => "kN",
            Self::Gf => "gf",
            Self::Kgf => "kgf",
            Self::Tf => "tf",
            Self::Lbf => "lbf",
            Self::Klbf => "klbf",
        }
    }

    /// The unit that a word names, in any case.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        Some(match word.trim_end_matches('.').to_lowercase().as_str() {
            "n" | "newton" | "newtons" => Self::N,
            "dan" => Self::DaN,
            "kn" | "kilonewton" | "kilonewtons" => Self::KN,
            "gf" | "g" => Self::Gf,
            "kgf" | "kg" | "kgs" | "kp" => Self::Kgf,
            "tf" | "t" | "ton" | "tonne" | "tonnes" => Self::Tf,
            "lbf" | "lb" | "lbs" | "pound" | "pounds" => Self::Lbf,
            "klbf" | "klb" | "klbs" | "kip" | "kips" => Self::Klbf,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kilonewton_is_what_every_unit_says_it_is() {
        // 1 kN = 100 daN = 101.97 kgf = 224.81 lbf (common practice; exact definitions behind them).
        for (unit, many) in [
            (ForceUnit::N, 1000.0),
            (ForceUnit::DaN, 100.0),
            (ForceUnit::Kgf, 101.97),
            (ForceUnit::Lbf, 224.81),
        ] {
            assert!((many * unit.kn() - 1.0).abs() < 3e-5, "{unit:?}");
        }
        assert!((ForceUnit::Klbf.kn() / ForceUnit::Lbf.kn() - 1000.0).abs() < 1e-9);
        for unit in ForceUnit::ALL {
            assert_eq!(ForceUnit::of(unit.sign()), Some(unit));
        }
    }
}
