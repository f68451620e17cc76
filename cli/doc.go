// Package cli is the command line: it parses, calls one domain function, and
// renders. One command a file; a command is a struct that kong fills, with a
// Run method that takes the Shell.
//
// Exit status: 0 done and nothing wrong found; 1 done, but something needs
// attention; 2 input or usage is bad. Result files appear whole or not at all.
package cli
