//! What a pull until failure leaves out.

/// What it leaves out, a sentence each.
pub const LEFT_OUT: [&str; 6] = [
    "Pins and gate stay elastic; they end the pull at the limits that a forecast gives them.",
    "The frame tears where its ductility is used up over a millimetre around a point: no crack grows, and no flaw is in the metal.",
    "The model is plane, with the breadth of each place: nothing buckles or twists out of the plane.",
    "Friction is as entered, at the notch; straps are elastic, pull along the axis and do not slide along the bar, however far it has turned.",
    "What stays after unloading is that of the frame, its gate taken out for the last of it: a gate that no longer fits is not pressed in.",
    "The metal's curve is that of a first pull, from what is listed of it; heat and speed of the pull play no part.",
];
