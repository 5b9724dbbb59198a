//! The program from outside: started as people start it, judged by its files, its output, its
//! messages and its exit codes.

mod bench;
mod faults;
mod marks;
mod pictures;
mod rules;
mod serve;
mod stopped;
mod welcome;
mod whole_way;
