// Package parquet reads and writes flow logs as Parquet files
// (https://github.com/apache/parquet-format), batch by batch, in memory that
// depends on the file's pages and not on its length.
//
// What is read: one column called "time", a timestamp in any unit (taken as UTC
// whether it says so or not) or the old INT96, or seconds as DOUBLE, FLOAT, whole
// numbers or DECIMAL; and columns named as flowlog.ColumnNamed has it, of any
// integer, floating-point or boolean type, optional or required. Null is "not
// reported"; NaN is a fault. All current encodings of these types and the codecs
// Snappy, gzip, Zstandard, Brotli and LZ4_RAW are known. Columns of text, lists
// and groups are faults unless they are left out.
//
// Seconds in DOUBLE are taken for the nearest nanosecond up to 26 days, and
// beyond that for the shortest decimal that means the same DOUBLE, because that
// is what somebody wrote.
//
// What is written is said at Writer.
//
// Footer and page heads are checked against the bytes that are there before any
// memory is given for what they claim; a page may have 64 MiB unpacked. The data
// of a dictionary or of levels are decoded a stretch at a time, straight into
// the columns of a batch.
package parquet
