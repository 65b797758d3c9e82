/* Base set: branches, to the address of the branch + 2 + twice the signed offset [course-processor]. */

INSN(BR, "000400+XX", BRANCH, "----", BASE, "", "course-processor",
     "goes to {B}")
{ BRANCH_IF(1); }

INSN(BNE, "001000+XX", BRANCH, "----", BASE, "", "course-processor",
     "goes to {B} if Z=0")
{ BRANCH_IF(!GET_Z); }

INSN(BEQ, "001400+XX", BRANCH, "----", BASE, "", "course-processor",
     "goes to {B} if Z=1")
{ BRANCH_IF(GET_Z); }

INSN(BGE, "002000+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if N=V")
{ BRANCH_IF(!(GET_N ^ GET_V)); }

INSN(BLT, "002400+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if N!=V")
{ BRANCH_IF(GET_N ^ GET_V); }

INSN(BGT, "003000+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if Z=0 and N=V")
{ BRANCH_IF(!(GET_Z | (GET_N ^ GET_V))); }

INSN(BLE, "003400+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if Z=1 or N!=V")
{ BRANCH_IF(GET_Z | (GET_N ^ GET_V)); }

INSN(BPL, "100000+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if N=0")
{ BRANCH_IF(!GET_N); }

INSN(BMI, "100400+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if N=1")
{ BRANCH_IF(GET_N); }

INSN(BHI, "101000+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if C=0 and Z=0")
{ BRANCH_IF(!(GET_C | GET_Z)); }

INSN(BLOS, "101400+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if C=1 or Z=1")
{ BRANCH_IF(GET_C | GET_Z); }

INSN(BVC, "102000+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if V=0")
{ BRANCH_IF(!GET_V); }

INSN(BVS, "102400+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if V=1")
{ BRANCH_IF(GET_V); }

INSN(BCC, "103000+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if C=0")
{ BRANCH_IF(!GET_C); }
ALIAS(BHIS, BCC, "103000+XX")

INSN(BCS, "103400+XX", BRANCH, "----", BASE, "", "processor-handbooks-1972-81",
     "goes to {B} if C=1")
{ BRANCH_IF(GET_C); }
ALIAS(BLO, BCS, "103400+XX")
