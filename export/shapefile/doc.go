// Package shapefile writes a layer as a shapefile: a set of files that share a
// name and differ in their ends.
//
//	.shp  a head of 100 bytes, then records: number and length in 16-bit words
//	      (big-endian), shape (little-endian: type, box, parts, positions)
//	.shx  for each record where it begins and how long it is
//	.dbf  the columns: dBASE III, one record of fixed width for each shape
//	.prj  the reference system as WKT: WGS 84, longitude and latitude
//	.cpg  the encoding of the texts: UTF-8
//
// Outer rings run clockwise and holes the other way, as the form asks: the
// reverse of what a Layer holds. A feature without a place is a null shape. Names
// of columns have ten characters (Field.Short); texts end at 254 bytes, between
// letters. A layer without geometry is .dbf and .cpg alone.
//
// Sources: ESRI Shapefile Technical Description, July 1998; dBASE III file
// structure as GDAL's shapefile driver documents it.
package shapefile
