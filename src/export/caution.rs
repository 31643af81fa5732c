//! The usual cautions of the trade, in one place, so that every output says the same.

/// One line, for the end of a printed answer.
pub const SHORT: &str = "Caution: mains and the charge left in filter capacitors can kill, unplugged too. Measure the parts in hand before you drill. \
Local codes and licensed practice decide.";

/// What can hurt, and the usual care.
pub const LONG: [(&str, &str); 5] = [
    (
        "Mains and stored high voltage",
        "Both can kill. Filter capacitors hold their charge long after the plug is out: bleed them through a resistor and measure 0 V before \
         you touch anything. Metal that a hand can reach is bonded to protective earth.",
    ),
    (
        "Cutting and drilling",
        "Clamp the work, never hold it by hand; wear eye protection and no gloves at a turning drill; sheet grabs as the bit breaks through; \
         file off the burrs.",
    ),
    (
        "Hot glass",
        "Tubes burn skin and scorch wood and covering, and stay hot for minutes after switching off.",
    ),
    (
        "Heavy iron",
        "Transformers make one end heavy: hold the chassis under the iron when you slide it out or turn it over, and keep fingers out of the grooves.",
    ),
    (
        "Who decides",
        "These are customs and arithmetic, not an approval. The electrical code where the amplifier is used and a licensed person's practice \
         decide what is safe.",
    ),
];
