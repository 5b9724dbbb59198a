//! The program from outside: started as people start it, judged by its files, its output, its
//! messages and its exit codes.

mod altered;
mod amounts;
mod bench;
mod borders;
mod drawn;
mod eased;
mod fabric;
mod faults;
mod lettered;
mod marks;
mod pictures;
mod practice;
mod printed;
mod rules;
mod serve;
mod stopped;
mod welcome;
mod whole_way;
mod yarns;
