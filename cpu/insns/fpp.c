/* Floating point processor: numbers of 32 or 64 bits (FPS bit FD), integers of 16 or 32 (FL), six accumulators.  What the
 * instructions do stands in core/floating_unit.inc, the arithmetic in core/floating.c.  Codes without a meaning are no reserved
 * words: they trap through 244 with error code 2 (ms_reserved). */

/* --- status */

INSN(CFCC, "170000", PLAIN, "****", FPP, "244", "processor-handbooks-1972-81",
     "copies the floating condition codes to N Z V C")
{ FPP(codes); }

INSN(SETF, "170001", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81",
     "makes floating numbers short, of two words")
{ FPP(short); }

INSN(SETI, "170002", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81",
     "makes integers of the floating unit short, of one word")
{ FPP(integer); }

INSN(SETD, "170011", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81",
     "makes floating numbers long, of four words")
{ FPP(double); }

INSN(SETL, "170012", PLAIN, "----", FPP, "244", "processor-handbooks-1972-81",
     "makes integers of the floating unit long, of two words")
{ FPP(long); }

INSN(LDFPS, "1701SS", STATUS_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "loads the floating status from {S}: {s}")
{ FPP(load_status); }

INSN(STFPS, "1702DD", STATUS_OUT, "----", FPP, "244", "processor-handbooks-1972-81",
     "stores the floating status to {D}: {r}")
{ FPP(store_status); }

/* FEC, then FEA; a register or an immediate operand has room for the first only. */
INSN(STST, "1703DD", STATUS_OUT, "----", FPP, "244", "processor-handbooks-1972-81",
     "stores the code and the address of the floating error to {D}: {rs}")
{ FPP(store_error); }

/* --- one operand */

INSN(CLRF, "1704FF", FLOAT_CLEAR, "----", FPP, "244", "processor-handbooks-1972-81",
     "clears {F}")
{ FPP(clear); }
ALIAS(CLRD, CLRF, "1704FF")

INSN(TSTF, "1705FF", FLOAT_TEST, "----", FPP, "244", "processor-handbooks-1972-81",
     "tests {F}: {1}")
{ FPP(test); }
ALIAS(TSTD, TSTF, "1705FF")

INSN(ABSF, "1706FF", FLOAT_CHANGE, "----", FPP, "244", "processor-handbooks-1972-81",
     "makes {F} positive: {1} becomes {2}")
{ FPP(absolute); }
ALIAS(ABSD, ABSF, "1706FF")

INSN(NEGF, "1707FF", FLOAT_CHANGE, "----", FPP, "244", "processor-handbooks-1972-81",
     "negates {F}: {1} becomes {2}")
{ FPP(negate); }
ALIAS(NEGD, NEGF, "1707FF")

/* --- accumulator and operand */

INSN(MULF, "171aFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "multiplies {A} by {F}: {a} * {1} gives {ra}")
{ FPP(multiply); }
ALIAS(MULD, MULF, "171aFF")

/* Fraction of the product to AC, its integer part to AC OR 1. */
INSN(MODF, "171AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "multiplies {A} by {F} and splits the product: {a} * {1} gives[ the whole {rb} in {A1} and] the fraction "
     "{ra} in {A}")
{ FPP(split); }
ALIAS(MODD, MODF, "171AFF")

INSN(ADDF, "172aFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "adds {F} to {A}: {a} + {1} gives {ra}")
{ FPP(add); }
ALIAS(ADDD, ADDF, "172aFF")

INSN(LDF, "172AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "loads {A} with {F}: {ra}")
{ FPP(load); }
ALIAS(LDD, LDF, "172AFF")

INSN(SUBF, "173aFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "subtracts {F} from {A}: {a} - {1} gives {ra}")
{ FPP(subtract); }
ALIAS(SUBD, SUBF, "173aFF")

/* Codes of operand - AC. */
INSN(CMPF, "173AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "compares {F} with {A}: {1} with {a}")
{ FPP(compare); }
ALIAS(CMPD, CMPF, "173AFF")

INSN(STF, "174aFF", FLOAT_OUT, "----", FPP, "244", "processor-handbooks-1972-81",
     "stores {A} to {F}: {1}")
{ FPP(store); }
ALIAS(STD, STF, "174aFF")

INSN(DIVF, "174AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "divides {A} by {F}: {a} / {1}[ gives {ra}]")
{ FPP(divide); }
ALIAS(DIVD, DIVF, "174AFF")

/* --- exponents and conversions; STEXP and STCFI set the codes of the PS too */

INSN(STEXP, "175aDD", INTEGER_OUT, "**00", FPP, "244", "processor-handbooks-1972-81",
     "stores the exponent of {A} to {D}: {a} has {r#}; N: the exponent is negative; Z: the exponent is 0")
{ FPP(store_exponent); }

INSN(STCFI, "175ADD", INTEGER_OUT, "**0*", FPP, "244", "processor-handbooks-1972-81",
     "stores {A} as an integer to {D}: {a} gives {1}; N: the integer is negative; Z: the integer is 0; C: the "
     "integer does not fit")
{ FPP(store_integer); }
ALIAS(STCFL, STCFI, "175ADD")
ALIAS(STCDI, STCFI, "175ADD")
ALIAS(STCDL, STCFI, "175ADD")

INSN(STCFD, "176aFF", FLOAT_OUT, "----", FPP, "244", "processor-handbooks-1972-81",
     "stores {A} in the other length to {F}: {a} gives {1}")
{ FPP(store_other); }
ALIAS(STCDF, STCFD, "176aFF")

INSN(LDEXP, "176ASS", INTEGER_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "sets the exponent of {A} by {S}: {a} with {s#} gives {ra}")
{ FPP(load_exponent); }

INSN(LDCIF, "177aSS", INTEGER_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "loads {A} with {S}, as a floating number: {1} gives {ra}")
{ FPP(load_integer); }
ALIAS(LDCID, LDCIF, "177aSS")
ALIAS(LDCLF, LDCIF, "177aSS")
ALIAS(LDCLD, LDCIF, "177aSS")

INSN(LDCDF, "177AFF", FLOAT_IN, "----", FPP, "244", "processor-handbooks-1972-81",
     "loads {A} with {F}, of the other length: {1} gives {ra}")
{ FPP(load_other); }
ALIAS(LDCFD, LDCDF, "177AFF")
