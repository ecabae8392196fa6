// Package catalogue reads lists of parts that can be bought and chooses among them
// what carries the target of a build.
//
// [Read] reads the lists of a folder: injectors, pumps, hoses, regulators and
// filters as CSV, which [Schema] describes. [Choose] then looks at every set of one
// part of each list, at every number of pumps and every base pressure allowed, and
// returns the sets that carry the target with the margins asked for and still idle
// cleanly, ranked by [Rule]; the trade-off among cost, headroom and idle pulse; what
// the others fail at and by how much; and those that nearly carry. A list that is not
// there leaves the sheet's own part in place, at no cost. [Plan] does it for two
// targets, one for today and one for later.
//
// # Why nothing is lost
//
// The sets are far too many to assess one by one, and need not be:
//
//   - The demand for fuel does not depend on the parts of the fuel system. So pumps,
//     lines and regulator are judged by a demand that is the same whatever the
//     injectors, as long as these pass it; and those that do not are rejected for
//     that alone.
//   - What an injector passes, and its pulse at idle, depend on the rest only through
//     the differential pressure at the target and at idle. Supply sides, which are
//     all but the injectors, that agree in both are looked at as one group.
//   - Cost and surplus of a set are sums of a number for the injectors and one for
//     the supply side. So the best sets of a supply side hold the best injectors of
//     its group, and no more of them are looked at than are asked for.
//   - Headroom is the lesser of the injectors' and the supply side's. So a set on the
//     edge of the trade-off holds injectors that no others of the group beat in cost,
//     headroom and idle pulse at once, and a supply side that none beats in cost and
//     headroom.
//
// Nothing is pruned by a guess at what rises with what, so that regulators that creep,
// dead times by pressure and rails that boost takes pressure from need no exception. A
// test compares the choice with an assessment of every set of small random lists on
// build sheets of all kinds.
package catalogue
