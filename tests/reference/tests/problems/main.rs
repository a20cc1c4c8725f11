//! Published problems, known numbers and what must hold of every solution.

mod collapse;
mod contact;
mod elastic;
mod elastic_plastic;
mod known_numbers;
mod meets;
mod properties;
mod strength;
